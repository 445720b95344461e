// Base plate, to be cut from sheet. x is sideways, y is forwards; the origin is under the pivots.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

back = -frame_plate_tail - frame_base_margin;
neck_y = back + frame_base_length / 2;
foot_x = frame_plate_spread / 2 - (frame_plate_thickness + frame_plate_foot_width) / 2;
foot_ends = [-frame_plate_tail + fasteners_frame_boss, frame_plate_foot_front - fasteners_frame_boss];

difference() {
  translate([-frame_base_width / 2, back, 0])
    rounded_block([frame_base_width, frame_base_length, frame_base_thickness], frame_base_lip);
  translate([0, neck_y, frame_base_thickness]) {
    drill(frame_neck_hole, frame_base_thickness + eps);
    for (i = [0 : frame_neck_bolts - 1])
      rotate(360 / frame_neck_bolts * (i + 0.5))
        translate([frame_neck_bolt_circle / 2, 0, 0])
          drill(fasteners_frame_screw_hole, frame_base_thickness + eps);
  }
  for (x = [-foot_x, foot_x], y = foot_ends)
    translate([x, y, frame_base_thickness])
      drill(fasteners_frame_screw_hole, frame_base_thickness + eps);
}

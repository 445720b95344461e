// Side plate, left. Lies on its outer face; x is forwards, y is up, z is inwards.
// The origin is on the line of the jaw pivots.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

bars = [frame_bar_front, frame_bar_back, frame_bar_low];
insert_depth = fasteners_frame_insert_length + fasteners_insert_runout;
insert_z = (frame_plate_thickness + frame_plate_foot_width) / 2;
foot_ends = [-frame_plate_tail + fasteners_frame_boss, frame_plate_foot_front - fasteners_frame_boss];
body_middle = drive_standard_length / 2 - drive_standard_shaft_offset - jaw_shaft_drop;

module outline() {
  translate([-frame_plate_tail, -frame_jaw_pivot_height])
    square([frame_plate_tail + frame_plate_foot_front, frame_plate_height]);
  intersection() {
    circle(frame_plate_nose);
    translate([0, -frame_jaw_pivot_height])
      square([frame_plate_nose, frame_plate_height]);
  }
}

module servo_window() {
  translate([-jaw_shaft_back, body_middle]) {
    square(
      [drive_standard_width + 2 * drive_window_gap, drive_standard_length + 2 * drive_window_gap],
      center = true
    );
    for (x = [-0.5, 0.5], y = [-0.5, 0.5])
      translate([x * drive_standard_hole_gap, y * drive_standard_hole_pitch])
        circle(d = fasteners_link_insert_hole);
  }
}

module plate() {
  linear_extrude(frame_plate_thickness)
    difference() {
      outline();
      servo_window();
      circle(d = fasteners_pivot_insert_hole);
    }
}

module foot() {
  translate([-frame_plate_tail, -frame_jaw_pivot_height, 0])
    cube([frame_plate_tail + frame_plate_foot_front, frame_plate_foot_height, frame_plate_foot_width]);
}

// Carries the eye shelf.
module top_pad() {
  pad = 2 * fasteners_frame_boss;
  translate([-pad / 2, frame_plate_top - frame_plate_foot_height, 0])
    cube([pad, frame_plate_foot_height, frame_plate_foot_width]);
}

difference() {
  union() {
    plate();
    foot();
    top_pad();
  }
  for (a = bars)
    translate([frame_bar_circle * cos(a), frame_bar_circle * sin(a), 0])
      rotate([180, 0, 0])
        sunk_screw(
          fasteners_frame_screw_hole, fasteners_frame_screw_head + fasteners_ease,
          fasteners_frame_screw_head_height + fasteners_ease, frame_plate_thickness + eps
        );
  for (x = foot_ends)
    translate([x, -frame_jaw_pivot_height, insert_z])
      rotate([90, 0, 0]) drill(fasteners_frame_insert_hole, insert_depth);
  for (x = [-0.5, 0.5])
    translate([x * fasteners_frame_boss, frame_plate_top, insert_z])
      rotate([-90, 0, 0]) drill(fasteners_frame_insert_hole, insert_depth);
}

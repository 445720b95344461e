// Lower jaw: the trough in front of the yoke. Stands on its floor; x is sideways, y is forwards
// from the yoke, z is up.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

shoulder = jaw_width / 2 - jaw_corner;
canine_turn = jaw_corner - teeth_rim / 2 - eps;
canine_x = shoulder + canine_turn * cos(45);
canine_y = jaw_length - jaw_corner + canine_turn * sin(45);
boss_height = jaw_floor + fasteners_link_insert_length + fasteners_insert_runout;

module outline() {
  hull() {
    translate([-jaw_width / 2, 0]) square([jaw_width, jaw_flange]);
    for (x = [-shoulder, shoulder])
      translate([x, jaw_length - jaw_corner]) circle(jaw_corner);
  }
}

// The hollow, with the back wall and the thick front rim left standing.
module hollow() {
  intersection() {
    offset(delta = -jaw_wall) outline();
    translate([-jaw_width / 2, jaw_flange])
      square([jaw_width, jaw_length - jaw_flange - teeth_rim]);
  }
}

module magnet_pocket() {
  drill(teeth_pocket_diameter, teeth_pocket_depth);
}

difference() {
  union() {
    difference() {
      linear_extrude(jaw_chin_height) outline();
      translate([0, 0, jaw_floor]) linear_extrude(jaw_chin_height) hollow();
    }
    // Posts for the canines' magnets and for the bracket of the lift servo.
    for (x = [-canine_x, canine_x])
      translate([x, canine_y, 0]) cylinder(d = teeth_rim, h = jaw_chin_height);
    for (x = [-0.5, 0.5])
      translate([x * drive_micro_hole_pitch, jaw_length / 3, 0])
        cylinder(d = fasteners_link_boss, h = boss_height);
  }
  for (x = [-canine_x, canine_x])
    translate([x, canine_y, jaw_chin_height]) magnet_pocket();
  for (x = [-0.25, 0.25])
    translate([x * teeth_strip_width, jaw_length - teeth_rim / 2, jaw_chin_height]) magnet_pocket();
  for (x = [-0.5, 0.5])
    translate([x * drive_micro_hole_pitch, jaw_length / 3, boss_height])
      drill(fasteners_link_insert_hole, fasteners_link_insert_length + fasteners_insert_runout);
  // Screws into the yoke.
  for (x = [-0.5, 0.5])
    translate([x * jaw_flange_pitch, 0, jaw_chin_height - jaw_bar_height / 2])
      rotate([90, 0, 0]) drill(fasteners_frame_screw_hole, jaw_flange + eps);
}

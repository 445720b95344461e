// Eye socket: a ring on a foot that is screwed to the eye shelf from below. Lies on its front;
// x is sideways, y is up, z is backwards. The origin is in front of the middle of the eye.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

bottom = eyes_socket_outer / 2 - eyes_socket_height;
foot_width = eyes_foot_pitch + fasteners_frame_boss;
insert_depth = fasteners_frame_insert_length + fasteners_insert_runout;
pin_length = lids_tab_thickness + fasteners_ease;

module body() {
  cylinder(d = eyes_socket_outer, h = eyes_socket_depth);
  translate([-foot_width / 2, bottom, 0])
    cube([foot_width, insert_depth + eyes_socket_wall, eyes_socket_depth]);
}

// The lids turn on two pins, level with the middle of the globe.
module pins() {
  for (side = [-1, 1])
    translate([side * eyes_socket_inner / 2, 0, eyes_socket_depth / 2])
      rotate([0, -90 * side, 0])
        translate([0, 0, -eyes_socket_wall / 2])
          cylinder(d = lids_pivot_pin, h = pin_length + eyes_socket_wall / 2);
}

difference() {
  body();
  translate([0, 0, -eps]) cylinder(d = eyes_socket_inner, h = eyes_socket_depth + 2 * eps);
  for (x = [-0.5, 0.5])
    translate([x * eyes_foot_pitch, bottom, eyes_socket_depth / 2])
      rotate([90, 0, 0]) drill(fasteners_frame_insert_hole, insert_depth);
}
pins();

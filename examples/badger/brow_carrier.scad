// Brow carrier, in soft plastic. Lies on its back; the clamp is at the origin, x runs inwards.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

post_x = brows_carrier_length - brows_carrier_width / 2;

difference() {
  union() {
    rounded_block([brows_carrier_length, brows_carrier_width, brows_carrier_thickness], brows_carrier_width / 4);
    translate([post_x, brows_carrier_width / 2, 0])
      cylinder(d = brows_post_diameter, h = brows_carrier_height);
  }
  // The rod's screw through the post, and the two screws of the clamp.
  translate([post_x, 0, brows_carrier_thickness + brows_post_height / 2])
    rotate([90, 0, 0]) drill(fasteners_link_screw_hole, brows_carrier_width + eps);
  for (x = [0.3, 0.7])
    translate([x * brows_clamp_length, brows_carrier_width / 2, brows_carrier_thickness])
      drill(fasteners_link_screw_hole, brows_carrier_thickness + eps);
}

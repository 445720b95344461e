// Lip carrier, in soft plastic, printed in its curve. The middle of the muzzle is the origin and
// y is forwards; upper and lower lip are alike.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

module sector(angle, r) {
  polygon(concat([[0, 0]], [for (i = [0 : 12]) let (a = 90 - angle / 2 + angle * i / 12) r * [cos(a), sin(a)]]));
}

difference() {
  linear_extrude(lips_carrier_height)
    intersection() {
      difference() {
        circle(lips_carrier_radius + lips_carrier_thickness);
        circle(lips_carrier_radius);
      }
      sector(lips_carrier_sweep, 2 * lips_carrier_radius);
    }
  // The skin is keyed into these while it is cast.
  for (i = [0 : lips_skin_pins - 1])
    rotate(lips_carrier_sweep * ((i + 0.5) / lips_skin_pins - 0.5))
      translate([0, lips_carrier_radius - eps, lips_carrier_height / 2])
        rotate([90, 0, 0]) drill(fasteners_link_screw_hole, lips_carrier_thickness * 2);
}

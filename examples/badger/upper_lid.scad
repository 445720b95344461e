// Upper lid: a wedge of a hollow sphere, with a tab at each end and the arm for its link on one.
// x runs through the two pivots.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

// With the lid half shut its arm points straight back.
arm_angle = 180 + lids_blink_max / 2 - lids_open_edge;

module tab_side(with_arm) {
  hull() {
    circle(lids_tab_radius);
    if (with_arm)
      rotate(arm_angle) translate([lids_arm, 0]) circle(lids_link_hole * 1.5);
  }
}

// Drawn about z, then laid down.
rotate([0, 90, 0])
  difference() {
    union() {
      rotate_extrude(angle = lids_wedge) half_ring(lids_inner_radius, lids_outer_radius, $fn / 2);
      translate([0, 0, lids_span / 2 - lids_tab_thickness])
        linear_extrude(lids_tab_thickness) tab_side(true);
      translate([0, 0, -lids_span / 2])
        linear_extrude(lids_tab_thickness) tab_side(false);
    }
    cylinder(d = lids_pivot_bore, h = lids_span + 2 * eps, center = true);
    rotate(arm_angle) translate([lids_arm, 0, lids_span / 2])
      drill(lids_link_hole, lids_tab_thickness + eps);
  }

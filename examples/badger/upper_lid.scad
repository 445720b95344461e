// Upper lid: a wedge of a hollow sphere with a tab at each end. x runs through the two pivots.
include <dimensions.scad>
use <shapes.scad>

$fn = 96;
eps = 0.01;

// One tab at the end of the axis, its outer face on half the span.
module tab(side) {
  translate([side * lids_span / 2, 0, 0])
    rotate([0, -90 * side, 0]) cylinder(r = lids_tab_radius, h = lids_tab_thickness);
}

difference() {
  union() {
    rotate([0, 90, 0])
      rotate_extrude(angle = lids_wedge) half_ring(lids_inner_radius, lids_outer_radius, $fn / 2);
    tab(1);
    tab(-1);
  }
  rotate([0, 90, 0]) cylinder(d = lids_pivot_bore, h = lids_span + 2 * eps, center = true);
}

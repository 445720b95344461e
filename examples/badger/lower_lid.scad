// Lower lid: a wedge of a hollow sphere on two snap fingers that hook behind the socket's ring.
// x is sideways through the pivots, y is up, z is the way he looks.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

// Room for the upper lid's tabs about the pivots.
tab_room = lids_tab_radius + 2 * fasteners_slide;
finger_face = eyes_socket_inner / 2 - fasteners_slide;
root_top = -tab_room;
root_front = tab_room + lids_thickness;
hook = lids_snap_hook + fasteners_slide;

// Hangs down from the lower edge.
module wedge() {
  rotate([0, 90, 0])
    rotate(180 - lids_lower_edge)
      rotate_extrude(angle = lids_lower_wedge) half_ring(lids_inner_radius, lids_outer_radius, $fn / 2);
}

module root() {
  difference() {
    translate([0, root_top - lids_snap_width, 0])
      cube([finger_face, lids_snap_width, root_front]);
    sphere(lids_inner_radius);
  }
}

// Seen from above: x outwards, y backwards from the root; the hook catches behind the ring.
module finger_side() {
  inside = finger_face - lids_snap_thickness;
  polygon([
    [inside, -eps],
    [finger_face, -eps],
    [finger_face, lids_snap_length],
    [finger_face + hook, lids_snap_length],
    [finger_face, lids_snap_length + 2 * hook],
    [inside, lids_snap_length + 2 * hook]
  ]);
}

module finger() {
  translate([0, root_top, 0])
    rotate([90, 0, 0]) linear_extrude(lids_snap_width) mirror([0, 1]) finger_side();
}

union() {
  difference() {
    wedge();
    rotate([0, 90, 0]) cylinder(r = tab_room, h = 2 * lids_outer_radius, center = true);
  }
  for (side = [0, 1])
    mirror([side, 0, 0]) {
      root();
      finger();
    }
}

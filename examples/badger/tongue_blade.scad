// Tongue, in soft plastic. Lies on its underside; x is sideways, y is forwards, z is up.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

edge = tongue_thickness / 3;

// The tip is round; the root stays square on the slide.
module outline() {
  hull() {
    translate([-tongue_width / 2, 0]) square([tongue_width, edge]);
    translate([0, tongue_length - tongue_root_radius]) circle(tongue_root_radius);
  }
}

module body() {
  hull() {
    linear_extrude(tongue_thickness - edge) outline();
    linear_extrude(tongue_thickness) offset(delta = -edge) outline();
  }
}

module groove() {
  for (y = [tongue_length / 4, tongue_length * 0.75])
    translate([0, y, tongue_thickness]) sphere(tongue_groove, $fn = 24);
}

difference() {
  body();
  hull() groove();
  // Keyed on the slide and held by two screws from above.
  translate([-tongue_slide_width / 2, -eps, -eps])
    cube([tongue_slide_width, tongue_key_length, tongue_slide_height / 2 + eps]);
  for (x = [-0.3, 0.3])
    translate([x * tongue_slide_width, tongue_length / 5, tongue_thickness])
      sunk_screw(
        fasteners_link_screw_hole, fasteners_link_screw_head + fasteners_ease,
        tongue_thickness / 2, tongue_thickness + eps
      );
}

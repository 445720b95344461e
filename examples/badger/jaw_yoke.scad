// Jaw yoke: cross bar and two arms. x is sideways, y is forwards, z is up; the origin is in the
// middle between the pivots. Print it standing on the front of the bar.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

bar_low = -jaw_rim_drop - jaw_bar_height;
lever_tip = jaw_lever * [cos(jaw_lever_rest), sin(jaw_lever_rest)];

// Turns a drawing of y and z into a slab across x.
module slab(from, thickness) {
  translate([from, 0, 0]) rotate([90, 0, 90]) linear_extrude(thickness) children();
}

module arm_side() {
  hull() {
    circle(d = jaw_pivot_boss);
    translate([jaw_yoke_inner_reach, bar_low]) square([jaw_bar_depth, jaw_bar_height]);
  }
}

module lever_side() {
  hull() {
    circle(jaw_lever_eye);
    translate(lever_tip) circle(jaw_lever_eye);
  }
}

// Right side; the inner face of the arm stands on yoke_inner.
module arm() {
  inside = jaw_yoke_inner / 2;
  difference() {
    union() {
      slab(inside, jaw_arm_thickness) arm_side();
      slab(inside, jaw_lever_thickness) lever_side();
    }
    slab(inside - eps, jaw_arm_thickness + 2 * eps) circle(d = jaw_pivot_bore);
    slab(inside - eps, jaw_lever_thickness + 2 * eps)
      translate(lever_tip) circle(d = fasteners_link_insert_hole);
  }
}

module bar() {
  difference() {
    translate([-jaw_yoke_width / 2, jaw_yoke_inner_reach, bar_low])
      cube([jaw_yoke_width, jaw_bar_depth, jaw_bar_height]);
    for (x = [-0.5, 0.5])
      translate([x * jaw_flange_pitch, jaw_yoke_reach, -jaw_rim_drop - jaw_bar_height / 2])
        rotate([-90, 0, 0])
          drill(fasteners_frame_insert_hole, fasteners_frame_insert_length + fasteners_insert_runout);
  }
}

union() {
  bar();
  arm();
  mirror([1, 0, 0]) arm();
}

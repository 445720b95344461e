// Front half of an eyeball, with the seat of the glass and the boss of the stalk. Stands on the
// cut through its middle; z is the way he looks.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

outer = eyes_globe / 2;
inner = outer - eyes_globe_wall;
seat = eyes_rim_height - eyes_iris_depth;
ceiling = seat - eyes_iris_floor;
boss = eyes_stalk + 2 * eyes_globe_wall;

module below(z, r) {
  intersection() {
    rotate_extrude() quarter_disc(r, $fn / 4);
    translate([-r, -r, 0]) cube([2 * r, 2 * r, z]);
  }
}

difference() {
  union() {
    difference() {
      below(eyes_rim_height, outer);
      translate([0, 0, -eps]) below(ceiling + eps, inner);
    }
    translate([0, 0, eyes_globe_wall]) cylinder(d = boss, h = seat - eyes_globe_wall);
  }
  translate([0, 0, eyes_rim_height]) drill(eyes_iris + fasteners_ease, eyes_iris_depth);
  translate([0, 0, ceiling]) drill(eyes_stalk, ceiling - eyes_globe_wall + eps);
}

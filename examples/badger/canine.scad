// Canine tooth. Stands on the joint; the magnet goes in from below and a cap is glued over it.
include <dimensions.scad>
use <shapes.scad>

$fn = 64;
eps = 0.01;

collar = teeth_pocket_depth + teeth_cap; // straight part round the magnet

difference() {
  union() {
    cylinder(d = teeth_canine_base, h = collar);
    translate([0, 0, collar])
      cylinder(d1 = teeth_canine_base, d2 = teeth_canine_tip, h = teeth_canine_length - collar);
  }
  rotate([180, 0, 0]) drill(teeth_pocket_diameter, teeth_pocket_depth);
}

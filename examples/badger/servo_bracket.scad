// Bracket for a micro servo. Stands on its base; the servo hangs in it by its ears.
include <dimensions.scad>
use <shapes.scad>

$fn = 48;
eps = 0.01;

body = [drive_micro_length + 2 * drive_window_gap, drive_micro_width + 2 * drive_window_gap];
insert_x = drive_micro_hole_pitch / 2;

difference() {
  translate([-drive_bracket_width / 2, -drive_bracket_height / 2, 0])
    rounded_block([drive_bracket_width, drive_bracket_height, drive_bracket_depth], drive_bracket_wall);
  // The servo's body, and a way out for its lead.
  translate([-body[0] / 2, -body[1] / 2, drive_bracket_base])
    cube([body[0], body[1], drive_bracket_depth]);
  translate([-body[0] / 2 - drive_micro_lead, -drive_micro_width / 4, drive_bracket_base])
    cube([drive_micro_lead + eps, drive_micro_width / 2, drive_bracket_depth]);
  // Open sides save plastic and show the lead.
  translate([-drive_micro_length / 4, -drive_bracket_height / 2 - eps, drive_bracket_base])
    cube([drive_micro_length / 2, drive_bracket_height + 2 * eps, drive_bracket_depth]);
  for (side = [-1, 1]) {
    translate([side * insert_x, 0, drive_bracket_depth])
      drill(drive_micro_ear_screw, drive_micro_behind / 2);
    translate([side * insert_x, 0, 0])
      rotate([180, 0, 0]) drill(fasteners_link_insert_hole, fasteners_link_insert_length);
  }
}

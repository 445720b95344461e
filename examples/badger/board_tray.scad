// Tray for the carrier board. Lies on its floor; the board goes in from above.
include <dimensions.scad>
use <shapes.scad>

$fn = 48;
eps = 0.01;

post_height = board_floor + board_standoff;
border = board_wall + board_gap;
slot_step = board_pitch_x / (board_slot_count + 1);

module posts(d) {
  for (x = [-0.5, 0.5], y = [-0.5, 0.5])
    translate([board_tray_length / 2 + x * board_pitch_x, board_tray_width / 2 + y * board_pitch_y, 0])
      children();
}

difference() {
  union() {
    difference() {
      rounded_block([board_tray_length, board_tray_width, board_tray_height], board_wall);
      translate([board_wall, board_wall, board_floor])
        cube([board_tray_length - 2 * board_wall, board_tray_width - 2 * board_wall, board_tray_height]);
    }
    posts() cylinder(d = fasteners_board_boss, h = post_height);
  }
  posts() translate([0, 0, post_height])
    drill(fasteners_board_insert_hole, fasteners_board_insert_length + fasteners_insert_runout);
  // Vents.
  for (i = [1 : board_slot_count])
    translate([
      (board_tray_length - board_pitch_x - board_slot_width) / 2 + i * slot_step,
      (board_tray_width - board_slot_length) / 2,
      -eps
    ])
      cube([board_slot_width, board_slot_length, board_floor + 2 * eps]);
  // Leads come in at the middle of one end, above the floor.
  translate([-eps, board_tray_width / 2, board_tray_height])
    rotate([0, 90, 0])
      cylinder(d = min(board_grommet, 2 * board_standoff), h = border);
}

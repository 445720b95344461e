// Shapes that several models use. Every size comes in as an argument.

eps = 0.01; // overlap, so that cuts and joins are clean

// A drilled hole: its mouth at the origin, going down.
module drill(d, depth) {
  translate([0, 0, -depth]) cylinder(d = d, h = depth + eps);
}

// A screw hole with its head sunk below the surface: the surface at the origin, going down.
module sunk_screw(hole, head, head_height, depth) {
  drill(hole, depth);
  drill(head, head_height);
}

// An upright block with rounded corners, from the origin to size.
module rounded_block(size, r) {
  linear_extrude(size[2])
    hull()
      for (x = [r, size[0] - r], y = [r, size[1] - r])
        translate([x, y]) circle(r);
}

// Half of a ring seen in section, right of the axis, to be turned into a hollow sphere.
module half_ring(inner, outer, steps) {
  polygon(concat(
    [for (i = [0 : steps]) let (a = -90 + 180 * i / steps) outer * [cos(a), sin(a)]],
    [for (i = [0 : steps]) let (a = 90 - 180 * i / steps) inner * [cos(a), sin(a)]]
  ));
}

// A quarter disc right of the axis and above it, to be turned into a half ball.
module quarter_disc(r, steps) {
  polygon(concat([[0, 0]], [for (i = [0 : steps]) let (a = 90 * i / steps) r * [cos(a), sin(a)]]));
}

include <library/gears.scad>
cube(lid_width);

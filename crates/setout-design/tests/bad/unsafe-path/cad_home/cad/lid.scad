cube(lid_width);

"""The most memory that a program ever holds, in bytes: peak.py PROGRAM ARGUMENTS…

It is the system's own figure, ru_maxrss, told when the program has ended. Python holds some 10 MB itself
while it starts the program, and a program that holds less counts as much.
"""

import os
import sys

nothing = os.open(os.devnull, os.O_WRONLY)
child = os.posix_spawnp(sys.argv[1], sys.argv[1:], os.environ, file_actions=[(os.POSIX_SPAWN_DUP2, nothing, 1)])
_, status, used = os.wait4(child, 0)
if status != 0:
    sys.exit(f"{sys.argv[1:]}: status {status}")
# Linux counts in KiB, macOS in bytes.
print(used.ru_maxrss * (1 if sys.platform == "darwin" else 1024))

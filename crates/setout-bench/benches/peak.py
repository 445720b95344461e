"""How long a program takes, in seconds, and the most memory that it ever holds, in bytes:
peak.py PROGRAM ARGUMENTS…

The memory is the system's own figure, ru_maxrss, told when the program has ended. Python holds some 10 MB itself
while it starts the program, and a program that holds less counts as much.
"""

import os
import sys
import time

nothing = os.open(os.devnull, os.O_WRONLY)
start = time.perf_counter()
child = os.posix_spawnp(sys.argv[1], sys.argv[1:], os.environ, file_actions=[(os.POSIX_SPAWN_DUP2, nothing, 1)])
_, status, used = os.wait4(child, 0)
seconds = time.perf_counter() - start
if status != 0:
    sys.exit(f"{sys.argv[1:]}: status {status}")
# Linux counts in KiB, macOS in bytes.
print(seconds, used.ru_maxrss * (1 if sys.platform == "darwin" else 1024))

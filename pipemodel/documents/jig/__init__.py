"""The papers and files of a checking jig: 3MF, STL and STEP to print, a plan to drill by, and what it accepts."""

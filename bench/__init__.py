"""Speed as ratios within one run: what Purlin adds to the bare thing that any program would have to do."""

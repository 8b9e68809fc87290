"""A block as a file: written for another practice or another program, and read back as a draft."""

"""The planning table: the same trip files and the same results, in a browser on this machine."""

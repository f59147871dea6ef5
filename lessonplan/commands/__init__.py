"""The commands, a file for each kind; each is thin: it calls one function of the package and prints what that gave."""

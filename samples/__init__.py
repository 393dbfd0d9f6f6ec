"""An invented school with invented classes, to try the program on and to test it with."""

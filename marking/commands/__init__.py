"""The face on the terminal: the only room that turns errors into text and exit status."""

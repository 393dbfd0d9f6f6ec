"""Who marked which class: the list of a department, read."""

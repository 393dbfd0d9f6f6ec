"""One step a file, named by its number; a step that was once released is never changed."""

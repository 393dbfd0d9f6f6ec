"""From a class's results to marks that can be explained."""

"""The demonstration: it shows everything, hides nothing, and says on its face that it is invented."""

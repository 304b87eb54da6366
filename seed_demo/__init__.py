"""An invented workshop with invented fleets: everything the demonstration shows, told through the actions."""

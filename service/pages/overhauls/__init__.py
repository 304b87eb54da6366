"""Pages of one overhaul, in the order of the job."""

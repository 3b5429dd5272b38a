"""Pages served from the laptop to the people of the job; computes nothing of its own."""

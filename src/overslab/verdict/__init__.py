"""May we pour over it, bonded or unbonded, and why."""

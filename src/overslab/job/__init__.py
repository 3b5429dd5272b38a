"""Holds what the owner wrote down, walks the rooms in the order of the work, stores."""

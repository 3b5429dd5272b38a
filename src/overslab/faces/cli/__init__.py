"""The command line: shows and asks; computes nothing."""

"""The ground every room stands on: units, faults, plan geometry, fitting, linear programmes.

Imports nothing else of ours.
"""

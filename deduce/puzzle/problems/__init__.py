"""Any problem of python-constraint as a layout: variables for cells, their values for digits, constraints for rules.

Everything is read once, before anything is solved; the caller's problem is neither solved nor changed.
"""

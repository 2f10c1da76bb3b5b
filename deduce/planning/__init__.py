"""Lines of deduction chosen for a purpose: plans, stuck points, showcases, comparisons."""

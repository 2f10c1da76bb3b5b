"""What is supposed and refuted, and the plan of a walk beyond the patterns."""

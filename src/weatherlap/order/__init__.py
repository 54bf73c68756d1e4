"""Order: take-down, put-back, runs, nights, tasks, schedule."""

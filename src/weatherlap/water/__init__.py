"""The water: trace, flows, lap rules, mend, open-here-next."""

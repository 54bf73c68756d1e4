"""The job file: records, reading, writing, schema, and what makes it whole."""

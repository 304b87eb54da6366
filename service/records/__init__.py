"""Tables, queries, the unit of work and the journal. A row becomes a domain value here, once."""

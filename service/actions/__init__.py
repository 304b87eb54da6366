"""One function for each thing a person does. The only room that writes."""

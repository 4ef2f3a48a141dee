"""Floor plans: one layout placed in the client's room, or what keeps it out."""

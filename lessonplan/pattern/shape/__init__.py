"""How large a piece is: its outline to scale, and its lengths against the measures that it is for."""

"""What is made for publishing: homework between the parts, their release, the kit."""

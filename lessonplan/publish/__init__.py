"""What is made for publishing: homework between the episodes, their release, the kit."""

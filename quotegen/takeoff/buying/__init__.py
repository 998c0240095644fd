"""What is bought where: needs, suppliers, the order."""

"""What is laid, layer by layer: deck, boards, mat, resin, topcoat, insulation."""

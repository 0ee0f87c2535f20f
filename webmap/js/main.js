// wires

"""How a program becomes text: legalise, quantise once, write from integers. A dialect declares; it does not compute."""

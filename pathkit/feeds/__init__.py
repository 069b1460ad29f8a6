"""How thick chips are: what each bit takes in each material, from handbooks and common practice."""

"""Search for problems in which every order is allowed and each way costs the same in both directions."""

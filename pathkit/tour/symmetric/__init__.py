"""Search where every order is allowed and each way costs the same there and back."""

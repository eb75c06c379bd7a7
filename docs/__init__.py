"""The pages, and what makes and checks them."""

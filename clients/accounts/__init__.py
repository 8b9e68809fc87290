"""Where the accounts' library (django-allauth) meets our letters, forms, limits and ids."""

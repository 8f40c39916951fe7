"""What is read in a browser: the report of a plan on one page, the page that follows a plan as it is edited, the field
guide.
"""

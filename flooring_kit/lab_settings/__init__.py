"""What JupyterLab is given to run on: a working copy of the notebooks, and settings of its own."""

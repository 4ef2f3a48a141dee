"""Maps the top-level data folders into the package; all else is in pyproject.toml.

A table in pyproject.toml either finds packages or maps folders, not both.
"""

from setuptools import find_packages, setup

DATA_FOLDERS = {"lineconfig.data": "catalog", "lineconfig.demo": "examples"}

setup(
    packages=[*find_packages(include=["lineconfig", "lineconfig.*"]), *DATA_FOLDERS],
    package_dir=DATA_FOLDERS,
)

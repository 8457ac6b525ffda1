"""The rack: posts, bars, mounts and pieces as a tree, each setting a row; where one records."""

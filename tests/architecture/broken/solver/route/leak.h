#include <CGAL/AABB_tree.h>
#include "viewer/camera.h"

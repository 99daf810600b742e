// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
/// OpenGL 3.3 core, as the system's dispatch library exports it.
#define GL_GLEXT_PROTOTYPES
#include <GL/glcorearb.h>

#include "solver/field/line_field.h"

#include "solver/model/bay.h"

// This room draws cut files: it speaks of paper's pages, paths and texts without saying whose they are.
#pragma once

#include "paper/display.h"

namespace halfround::exchange {

using namespace paper;

}  // namespace halfround::exchange

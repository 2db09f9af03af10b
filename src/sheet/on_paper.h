// This room draws sheets and cards: it speaks of paper's pages, paths and texts without saying whose they
// are.
#pragma once

#include "paper/display.h"

namespace halfround::sheet {

using namespace paper;

}  // namespace halfround::sheet

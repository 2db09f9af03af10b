// This room draws views and dimensions: it speaks of paper's pages, paths and texts without saying whose they
// are.
#pragma once

#include "paper/display.h"

namespace halfround::drawing {

using namespace paper;

}  // namespace halfround::drawing

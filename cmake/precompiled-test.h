// The same for test programs (precompiled.h).
#pragma once

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "precompiled.h"

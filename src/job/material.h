// What a part is made of: a row of bike/material.h, or the builder's own figures. Frame: none.
#pragma once

#include <string>

#include "bike/material.h"
#include "job/job.h"

namespace halfround::job {

///   in  name  as the job has it
[[nodiscard]] bike::Material material_called(const Materials& materials, const std::string& name);

}  // namespace halfround::job

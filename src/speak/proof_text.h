// The bench test and what its reading says, in words and as JSON.
#pragma once

#include <string>

#include "solve/solve.h"
#include "study/proof.h"

namespace halfround::speak {

/// The tests themselves, a paragraph each.
[[nodiscard]] std::string proof_text(const study::Strength& strength);
/// What the reading says.
[[nodiscard]] std::string proof_text(const study::ProofFinding& finding, const study::ProofReading& reading);
/// One plain sentence, for a card or a page.
[[nodiscard]] std::string in_words(const study::ProofTest& test);
[[nodiscard]] std::string in_words(study::ProofSays says);

}  // namespace halfround::speak

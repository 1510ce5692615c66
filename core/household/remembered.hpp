// What a batch of before shows of its culture's pace: a table tells no course of the air, so it is
// taken as constant, and what is shown is as much wider as that may be off.
#pragma once

#include "core/jar/brew_tables.hpp"
#include "core/pace/pace_evidence.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Of a remembered batch: of when its whey pockets were seen, and of the verdict.
PaceEvidence remembered_evidence(const Batch& batch, const HouseholdSetup& setup,
                                 BrewTables& tables, const Parameters& parameters);

}  // namespace wheymark

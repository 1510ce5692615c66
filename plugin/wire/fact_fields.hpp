// The fields of each fact, once for reading and for writing, in the order in which they are read:
// only the first complaint is reported.
//
// `field` is called with the name and the member of each; see FieldReader and FieldWriter in
// fact_json.cpp.
#pragma once

#include "core/record/facts.hpp"

namespace wheymark {

void each_field(auto& field, Start& start) {
  field.jar(start.jar);
  field("culture", start.culture);
  field("milk", start.milk);
  field("treatment", start.treatment);
  field("milk_ml", start.milk_ml);
  field("grain_g", start.grain_g);
  field("lid", start.lid);
  field("place", start.place);
  field("milk_c", start.milk_c);
  field("ready_by", start.ready_by);
}
void each_field(auto& field, SignSeen& seen) {
  field.jar(seen.jar);
  field("sign", seen.sign);
}
void each_field(auto& field, PhMeasured& measured) {
  field.jar(measured.jar);
  field("ph", measured.ph);
  field("error", measured.error);
}
void each_field(auto& field, Move& move) {
  field.jar(move.jar);
  field("place", move.place);
}
void each_field(auto& field, LidPut& put) {
  field.jar(put.jar);
  field("lid", put.lid);
}
void each_field(auto& field, Strain& strain) {
  field.jar(strain.jar);
  field("into", strain.into);
  field("verdict", strain.verdict);
  field("grain_g", strain.grain_g);
  field("lid", strain.lid);
  field("ml", strain.ml);
}
void each_field(auto& field, Portion& portion) {
  field("jar", portion.jar);
  field("ml", portion.ml);
  field("lid", portion.lid);
}
void each_field(auto& field, StoreAway& store) {
  field.jar(store.jar);
  field("place", store.place);
  field("from", store.from);
  field("ml", store.ml);
  field("lid", store.lid);
}
void each_field(auto& field, Take& take) {
  field.jar(take.jar);
  field("place", take.place);
}
void each_field(auto& field, Pour& pour) {
  field.jar(pour.jar);
  field("ml", pour.ml);
}
void each_field(auto& field, Finish& finish) {
  field.jar(finish.jar);
}
void each_field(auto& field, Discard& discard) {
  field.jar(discard.jar);
  field.remark("why", discard.why);
}
void each_field(auto& field, Weigh& weigh) {
  field("culture", weigh.culture);
  field("grain_g", weigh.grain_g);
  field("out_of_jars", weigh.out_of_jars);
}
void each_field(auto& field, Rest& rest) {
  field("culture", rest.culture);
  field("place", rest.place);
}
void each_field(auto& field, Wake& wake) {
  field("culture", wake.culture);
}
void each_field(auto& field, Inspect& inspect) {
  field.culture_or_jar(inspect.culture, inspect.jar);
  field("colour", inspect.colour);
  field("smell", inspect.smell);
  field("sticky", inspect.sticky);
  field("mould", inspect.mould);
}
void each_field(auto& field, Spare& spare) {
  field("culture", spare.culture);
  field("use", spare.use);
  field("grain_g", spare.grain_g);
  field("all", spare.all);
}
void each_field(auto& field, Split& split) {
  field("culture", split.culture);
  field("into", split.into);
  field("grain_g", split.grain_g);
}
void each_field(auto& field, Wash& wash) {
  field.jar(wash.jar);
}
void each_field(auto& field, SecondBegun& second) {
  field.jar(second.jar);
  field("sugar_g", second.sugar_g);
  field("lid", second.lid);
}
void each_field(auto& field, Usual& usual) {
  field("culture", usual.culture);
  field("usual", usual.usual);
}
void each_field(auto& field, UsualBatch& batch) {
  field("hours", batch.hours);
  field("air_c", batch.air_c);
  field("grain_g", batch.grain_g);
  field("milk_ml", batch.milk_ml);
  field("milk_c", batch.milk_c);
}
void each_field(auto& field, Remembered& past) {
  Start& start = past.start;
  field.jar(start.jar);
  field("culture", start.culture);
  field("milk", start.milk);
  field("treatment", start.treatment);
  field("milk_ml", start.milk_ml);
  field("grain_g", start.grain_g);
  field("lid", start.lid);
  field("place", start.place);
  field("milk_c", start.milk_c);
  field("started", past.started);
  field("strained", past.strained);
  field("peak", past.peak);
  field("verdict", past.verdict);
  field("room_c", past.room_c);
  field("grain_out_g", past.grain_out_g);
}
void each_field(auto& field, Retract& retract) {
  field.remark("ref", retract.ref);
}

void each_field(auto& field, Undo& undo) {
  field.culture_or_jar(undo.culture, undo.jar);
  field.record("id", undo.id);
}

}  // namespace wheymark

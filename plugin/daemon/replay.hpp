// What does the library publish when it receives this traffic?
//
// Runs the real library on lines of JSON instead of a broker. In: one object a line,
// {"at": RFC 3339, "topic": text, "payload": text, "retain": bool, "qos": 0|1|2}, in the order of
// time; {"at": ...} alone lets time pass. Out: the same for everything that would have been
// published, `at` being the instant of publication. Between lines the timers fire as they do in the
// daemon. Every delivery is acknowledged at once. The same input gives the same output, byte for
// byte. The format's downside: payloads are text, so bytes that are not UTF-8 cannot go in, and in
// the output they are replaced.
#pragma once

#include <cstdio>
#include <istream>

#include "plugin/daemon/loaded_instance.hpp"
#include "plugin/daemon/log.hpp"

namespace wheymark {

// Throws WorldIsWrong for a refused configuration, and for a bad line, naming its number.
void replay(const Settings& settings, std::istream& in, std::FILE* out, const Log& log);

}  // namespace wheymark

// Receives what people report or ask, and sends each an answer.
//
// A person's message is a report or a question, as JSON, or the press of a button, which is a
// report too. Reports and Questions say what the answer is; here it is sent, and shown.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "plugin/library/host.hpp"
#include "plugin/library/host_clock.hpp"
#include "plugin/library/outbox.hpp"
#include "plugin/library/publisher.hpp"
#include "plugin/library/questions.hpp"
#include "plugin/library/reports.hpp"
#include "plugin/wire/answer.hpp"
#include "plugin/wire/homie_household.hpp"

namespace wheymark {

class Reception {
 public:
  Reception(const std::string& prefix, const HomieHousehold& homie, Reports& reports,
            Questions& questions, Outbox& outbox, Publisher& publisher);

  void subscribe(const Host& host) const;

  // Handles a message on any topic; does nothing on one that is neither for reports nor for
  // questions.
  void receive(std::string_view topic, std::string_view payload, const HostTime& time);

 private:
  // Whether it was accepted, here and below.
  bool receive_text(std::string_view payload, const std::optional<JarId>& implied_jar,
                    const HostTime& time);
  bool receive_report(const Report& said, const HostTime& time);
  bool receive_question(const nlohmann::json& asked, const std::optional<JarId>& implied_jar,
                        Answer answer, const HostTime& time);
  void receive_set(const HomieHousehold::SetTopic& set, std::string_view payload,
                   const HostTime& time);
  // Sends and shows an answer about `jar`, or about no known jar.
  void tell(const Answer& answer, const std::optional<JarId>& jar, const HostTime& time);
  void show(const Answer& answer, const std::optional<JarId>& jar, const HostTime& time);

  const HomieHousehold& homie_;
  Reports& reports_;
  Questions& questions_;
  Outbox& outbox_;
  Publisher& publisher_;
  std::string prefix_;
  std::string say_topic_;
};

}  // namespace wheymark

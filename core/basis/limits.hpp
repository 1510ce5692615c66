// Every limit of Wheymark, with its reason. Nothing that comes from outside is unbounded.
#pragma once

#include <chrono>
#include <cstddef>

namespace wheymark::limits {

// Text that comes in.
inline constexpr std::size_t payload_bytes_max =
    std::size_t{16} * 1024;                        // a reading or a say is < 1 kB
inline constexpr std::size_t json_depth_max = 16;  // copying JSON recurses
inline constexpr std::size_t configuration_bytes_max =
    std::size_t{16} * 1024 * 1024;                   // 10,000 jars fit
inline constexpr std::size_t id_chars_max = 48;      // one level of a Homie topic
inline constexpr std::size_t name_bytes_max = 80;    // fits a tile and a phone's notification
inline constexpr std::size_t text_bytes_max = 400;   // a reason or a ref; longer is no ref
inline constexpr std::size_t topic_bytes_max = 512;  // MQTT allows 65,535; homes need < 100

// What a thermometer may send. Outside, it is implausible and never believed.
inline constexpr double plausible_c_min = -5.0;                // a fridge's freezer corner
inline constexpr double plausible_c_max = 50.0;                // a shelf in the sun
inline constexpr std::chrono::seconds reading_spacing_min{5};  // closer ones add nothing
inline constexpr std::chrono::hours late_reading_max{72};      // a gateway off for a weekend

// What a person may report.
inline constexpr double milk_ml_min = 50.0;
inline constexpr double milk_ml_max = 20'000.0;
inline constexpr double pour_ml_min = 5.0;  // a spoon, to taste
inline constexpr double grain_g_min = 0.5;
inline constexpr double grain_g_max = 2'000.0;
inline constexpr double grain_share_max = 0.5;  // grains per milk by mass; more is no batch
inline constexpr double milk_c_min = 0.0;
inline constexpr double milk_c_max = 45.0;  // above, grains are harmed: told to cool the milk
inline constexpr double ph_min = 2.5;
inline constexpr double ph_max = 7.5;
inline constexpr double sugar_g_min = 0.5;        // a berry
inline constexpr double sugar_g_per_l_max = 150;  // more is jam, in which no yeast works
inline constexpr double ph_error_min = 0.01;      // no meter of a kitchen is better
inline constexpr double ph_error_max = 1.0;       // a strip that tells whole numbers
inline constexpr double usual_h_min = 4.0;        // the quickest published batches take seven
inline constexpr double usual_h_max = 120.0;      // forecast_ahead_max
inline constexpr double usual_air_c_min = 8.0;    // below, grains hardly work
inline constexpr double usual_air_c_max = 38.0;   // above, they are harmed
inline constexpr std::size_t usual_max = 8;       // batches told as usual at once
inline constexpr std::chrono::sys_days remembered_since{std::chrono::year{2000} / 1 / 1};
inline constexpr std::chrono::minutes ahead_of_clock_max{5};  // a sender's clock may be off
inline constexpr std::chrono::hours fact_age_max{24 * 14};    // later than that, nobody knows

inline constexpr std::chrono::hours undone_within{24};  // then nobody knows what was last

// What a configuration may ask for.
inline constexpr double capacity_ml_max = 25'000.0;        // milk_ml_max and its headspace
inline constexpr double offset_k_max = 10.0;               // more is a broken thermometer
inline constexpr double silent_after_min_max = 24 * 60.0;  // a day without a reading is silence
inline constexpr std::size_t thermometers_max = 16;        // in one place
inline constexpr double notice_h_max = 24.0;               // a batch is hardly longer than a day
inline constexpr double notice_d_max = 14.0;               // best-by itself is two weeks
inline constexpr double vent_after_h_max = 7 * 24.0;       // batch_followed_max

// Time. Before the first of these the clock was not set; nothing is claimed until it is.
inline constexpr std::chrono::sys_days sane_since{std::chrono::year{2024} / 1 / 1};
inline constexpr std::chrono::sys_days sane_until{std::chrono::year{2100} / 1 / 1};
inline constexpr std::chrono::hours batch_followed_max{24 * 7};  // then it is long past anything
inline constexpr std::chrono::hours forecast_ahead_max{24 * 5};  // beyond: not known

// Sizes of what is kept in memory.
inline constexpr std::size_t history_readings_max = 100'000;  // five weeks at one a minute, twice
inline constexpr std::size_t outbox_in_flight_max = 100;      // back pressure towards the broker
inline constexpr std::size_t answers_waiting_max = 1'000;     // refusals for lack of a connection

// What the store may keep in memory for its next transaction, to spare SD cards.
inline constexpr std::size_t journal_rows_waiting_max = 5'000;  // a minute of a thousand places
inline constexpr std::size_t deliveries_waiting_max = 1'000;    // sent twice after a power cut

}  // namespace wheymark::limits

// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/last_cut.h"

#include "downball/base/text.h"
#include "downball/files/files.h"
#include "downball/model/m2.h"
#include "downball/solve/last_cut.h"
#include "downball/text/json.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {
namespace {

namespace fs = std::filesystem;

// "2/5" or "1", as reports spell speeds; what none can have is taken for real time.
Fraction speed_from(const std::string& spelled) {
    constexpr std::int64_t most = 1'000'000'000;
    const auto slash = spelled.find('/');
    const auto num = parse_integer(spelled.substr(0, slash));
    const auto den = slash == std::string::npos ? 1 : parse_integer(spelled.substr(slash + 1));
    if (!num || !den || *num < 1 || *den < 1 || *num > most || *den > most) return Fraction(1);
    return {*num, *den};
}

// As planned: the lists may say a rounded speed, the frames are what they were.
Fraction slowest_of(const text::JsonArray& parts) {
    Fraction slowest(1);
    for (const text::Json& part : parts) {
        const auto length = [&](const char* side) {
            return part.find(side)->find("out")->integer() - part.find(side)->find("in")->integer();
        };
        if (length("source") > 0 && length("record") > 0)
            slowest = std::min(slowest, Fraction(length("source"), length("record")));
    }
    return slowest;
}

LastCut cut_in(const text::Json& report) {
    const text::Json& delivery = *report.find("delivery");
    const double frames = delivery.find("frames")->number(), seconds = delivery.find("seconds")->number();
    const double frame_s = frames > 0 ? seconds / frames : 0;
    LastCut cut{{}, frame_s};
    for (const text::Json& shot : report.find("shots")->array()) {
        const auto& anchors = shot.find("anchors")->array();
        const text::Json& record = *shot.find("record");
        const FrameRange range{Frame{record.find("in")->integer()}, Frame{record.find("out")->integer()}};
        const double in_s = static_cast<double>(range.in.n) * frame_s;
        const text::Json* parts = shot.find("parts"); // of rallies on the beat
        const std::size_t held = parts ? anchors.size() : 1;
        const Fraction speed =
            parts ? slowest_of(parts->array()) : speed_from(shot.find("speed_fraction")->string());
        cut.shots.push_back({shot.find("id")->string(), shot.find("take")->string(), !anchors.empty(),
                             anchors.empty() ? in_s : anchors.front().find("beat_record_s")->number(), speed,
                             range, Frame{shot.find("source")->find("in")->integer()}, held});
    }
    return cut;
}

std::optional<write::FromList> list_in(const text::Json& report) {
    const text::Json* from = report.find("from_list");
    if (!from) return std::nullopt;
    write::FromList list{from->find("list")->string(), from->find("hash")->string(), {}, {}};
    for (const text::Json& name : from->find("removed")->array())
        list.removed.push_back(name.string());
    return list;
}

// "T012#1 (A012_0007.mov, attack, B2)"
std::string told(const LastCut::Shot& shot, const ShotLog& log) {
    const auto take = std::ranges::find(log.takes, shot.take, &Take::id);
    if (take == log.takes.end()) return shot.id;
    std::vector<std::string> about{fs::path(log.media[take->media].path).filename().string()};
    if (shot.action) {
        const auto impact = std::ranges::find(take->impacts, shot.id, &Impact::id);
        if (impact != take->impacts.end() && impact->skill) about.emplace_back(to_string(*impact->skill));
    } else
        about.emplace_back(to_string(take->kind));
    about.insert(about.end(), take->players.begin(), take->players.end());
    return fmt::format("{} ({})", shot.id, join(about, ", "));
}

} // namespace

Result<std::optional<LastRun>> read_last_run(const std::string& report_path) {
    std::error_code ignored;
    if (!fs::exists(report_path, ignored)) return std::optional<LastRun>{};
    const auto content = files::read_text(report_path);
    if (!content) return content.error();
    const auto report = text::parse_json(*content, report_path);
    if (!report) return report.error();
    if (auto valid = text::validate(*report, "report", report_path); !valid) return valid.error();
    return std::optional<LastRun>{{cut_in(*report), list_in(*report)}};
}

std::vector<std::string> tell_changes(const std::string& since, const LastCut& before, const LastCut& now,
                                      const ShotLog& log, const Delivery& delivery) {
    using What = solve::CutChange::What;
    const auto label = [&](const LastCut::Shot& shot) {
        const Frame at = delivery.start + nearest_frame(shot.at_s, delivery.rate);
        const auto text =
            to_timecode(wrap_day(at, delivery.rate, delivery.counting), delivery.rate, delivery.counting);
        return text ? *text : fmt::format("{:.2f} s", shot.at_s);
    };
    std::size_t stayed = 0, moved = 0, left = 0, came = 0;
    std::vector<std::string> lines{""};
    for (const auto& change : solve::cut_changes(before, now, delivery.rate)) {
        switch (change.what) {
        case What::stayed:
            ++stayed;
            break;
        case What::moved: {
            const auto& from = before.shots[change.before];
            const auto& to = now.shots[change.now];
            const bool as_fast =
                from.held > 1 || m2_tenths(from.speed, delivery.rate) == m2_tenths(to.speed, delivery.rate);
            const auto pace = from.held != to.held
                                  ? fmt::format(", with {} contact{} held", to.held, to.held > 1 ? "s" : "")
                              : as_fast ? std::string()
                                        : std::string(", at another speed");
            lines.push_back(fmt::format("  > {} to {}{}  {}", label(from), label(to), pace, told(to, log)));
            ++moved;
            break;
        }
        case What::left:
            lines.push_back(fmt::format("  - {}  {}", label(before.shots[change.before]),
                                        told(before.shots[change.before], log)));
            ++left;
            break;
        case What::came:
            lines.push_back(
                fmt::format("  + {}  {}", label(now.shots[change.now]), told(now.shots[change.now], log)));
            ++came;
            break;
        }
    }
    lines.front() = fmt::format("since {}: {} of {} shots stay, {} moved, {} left, {} came", since, stayed,
                                before.shots.size(), moved, left, came);
    return lines;
}

} // namespace downball::pipeline

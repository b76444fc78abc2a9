#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "common.hpp"
#include "midi.hpp"

namespace firmus::score {
namespace {

enum MetaEvent : unsigned {
  meta_text = 0x01,
  meta_track_name = 0x03,
  meta_lyric = 0x05,
  meta_end_of_track = 0x2F,
  meta_tempo = 0x51,
  meta_time_signature = 0x58,
  meta_key_signature = 0x59
};

class Bytes {
 public:
  Bytes(std::string_view bytes, const std::string& file) : bytes_(bytes), file_(file) {}

  bool at_end() const { return bytes_.empty(); }
  std::size_t left() const { return bytes_.size(); }

  unsigned byte() {
    require(1);
    const auto value = static_cast<unsigned char>(bytes_.front());
    bytes_.remove_prefix(1);
    return value;
  }
  unsigned peek() {
    require(1);
    return static_cast<unsigned char>(bytes_.front());
  }
  std::uint32_t number(int bytes) {
    std::uint32_t value = 0;
    for (int i = 0; i < bytes; ++i) value = value << 8 | byte();
    return value;
  }
  /// A variable-length quantity: seven bits a byte, four bytes at most.
  std::uint32_t variable() {
    std::uint32_t value = 0;
    for (int i = 0; i < 4; ++i) {
      const unsigned part = byte();
      value = value << 7 | (part & 0x7F);
      if (part < 0x80) return value;
    }
    damaged();
  }
  std::string_view take(std::size_t count) {
    require(count);
    const std::string_view taken = bytes_.substr(0, count);
    bytes_.remove_prefix(count);
    return taken;
  }
  [[noreturn]] void damaged() const { refuse_score(file_, "is a damaged MIDI file", "export it again"); }

 private:
  void require(std::size_t count) const {
    if (bytes_.size() < count) damaged();
  }
  std::string_view bytes_;
  const std::string& file_;
};

class TrackReader {
 public:
  TrackReader(std::string_view bytes, MidiFile& midi, std::size_t& note_count, const std::string& file)
      : bytes_(bytes, file), midi_(midi), note_count_(note_count), file_(file) {}

  MidiTrack read() {
    bool ended = false;
    while (!ended && !bytes_.at_end()) {
      now_ += bytes_.variable();
      ended = event();
    }
    for (const auto& [place, begins] : sounding_)
      for (const std::int64_t begin : begins) add_note(place, begin);
    std::stable_sort(track_.notes.begin(), track_.notes.end(),
                     [](const MidiNote& a, const MidiNote& b) { return a.begin < b.begin; });
    return std::move(track_);
  }

 private:
  /// Returns whether the track ends.
  bool event() {
    if (bytes_.peek() >= 0x80) {
      const unsigned status = bytes_.byte();
      if (status == 0xFF) return meta();
      if (status == 0xF0 || status == 0xF7) {
        bytes_.take(bytes_.variable());
        return false;
      }
      if (status > 0xF0) bytes_.damaged();
      status_ = status;
    }
    if (status_ == 0) bytes_.damaged();
    channel_message();
    return false;
  }

  void channel_message() {
    const unsigned kind = status_ >> 4, channel = status_ & 0x0F;
    const unsigned first = bytes_.byte();
    const unsigned second = kind == 0xC || kind == 0xD ? 0 : bytes_.byte();
    const auto place = std::pair(static_cast<int>(channel), static_cast<int>(first & 0x7F));
    if (kind == 0x9 && second > 0) {
      if (++note_count_ > most_score_notes)
        refuse_score(file_, fmt::format("has more than {} notes", most_score_notes), "export one part or one song");
      sounding_[place].push_back(now_);
    } else if (kind == 0x8 || kind == 0x9) {
      auto found = sounding_.find(place);
      if (found == sounding_.end() || found->second.empty()) return;
      add_note(place, found->second.front());
      found->second.erase(found->second.begin());
    } else if (kind == 0xE) {
      constexpr unsigned centre = 0x2000;
      track_.bends = track_.bends || ((second & 0x7F) << 7 | (first & 0x7F)) != centre;
    }
  }

  void add_note(const std::pair<int, int>& place, std::int64_t begin) {
    track_.notes.push_back({begin, now_, place.first, place.second});
  }

  bool meta() {
    const unsigned kind = bytes_.byte();
    const std::string_view data = bytes_.take(bytes_.variable());
    const auto value = [&](std::size_t i) { return static_cast<unsigned char>(data[i]); };
    switch (kind) {
      case meta_end_of_track:
        return true;
      case meta_track_name:
        if (track_.name.empty()) track_.name = one_line(utf8_of(data));
        break;
      case meta_lyric:
        track_.lyrics.push_back({now_, utf8_of(data)});
        break;
      case meta_text:
        track_.texts.push_back({now_, utf8_of(data)});
        break;
      case meta_tempo:
        if (data.size() >= 3) tempo(value(0) << 16 | value(1) << 8 | value(2));
        break;
      case meta_time_signature:
        if (data.size() >= 2 && value(0) >= 1 && value(0) <= 64 && value(1) <= 6)
          midi_.meters.push_back({now_, Meter{value(0), 1 << value(1)}});
        break;
      case meta_key_signature:
        if (data.size() >= 2)
          if (const auto key = key_of_signature(static_cast<signed char>(data[0]), data[1] ? Mode::minor : Mode::major))
            midi_.keys.push_back({now_, *key});
        break;
      default:
        break;
    }
    return false;
  }

  void tempo(int microseconds_per_quarter) {
    if (microseconds_per_quarter == 0) return;
    const double per_minute = 60e6 / microseconds_per_quarter;
    if (per_minute >= 5 && per_minute <= 2000) midi_.tempos.push_back({now_, per_minute});
  }

  Bytes bytes_;
  MidiFile& midi_;
  std::size_t& note_count_;
  const std::string& file_;
  MidiTrack track_;
  std::map<std::pair<int, int>, std::vector<std::int64_t>> sounding_;  ///< begins by channel and key
  std::int64_t now_ = 0;
  unsigned status_ = 0;
};

template <typename Events>
void sort_by_time(Events& events) {
  std::stable_sort(events.begin(), events.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
}

}  // namespace

MidiFile read_midi_events(std::string_view data, const std::string& file) {
  if (data.starts_with("RIFF")) data.remove_prefix(std::min(data.find("MThd"), data.size()));
  Bytes bytes(data, file);
  if (bytes.take(4) != "MThd") bytes.damaged();
  Bytes header(bytes.take(bytes.number(4)), file);
  MidiFile midi;
  midi.format = static_cast<int>(header.number(2));
  header.number(2);  // the number of tracks; those that are there count
  const std::uint32_t division = header.number(2);
  if (midi.format > 1)
    refuse_score(file, fmt::format("is a MIDI file of format {}, of independent patterns", midi.format),
                 "export it as format 0 or 1");
  if (division >= 0x8000)
    refuse_score(file, "is a MIDI file that counts seconds instead of beats", "export it with ticks per quarter note");
  if (division == 0) bytes.damaged();
  midi.ticks_per_quarter = static_cast<int>(division);
  std::size_t note_count = 0;
  while (bytes.left() >= 8) {
    const std::string_view kind = bytes.take(4);
    const std::string_view chunk = bytes.take(bytes.number(4));
    if (kind == "MTrk") midi.tracks.push_back(TrackReader(chunk, midi, note_count, file).read());
  }
  sort_by_time(midi.meters);
  sort_by_time(midi.keys);
  sort_by_time(midi.tempos);
  return midi;
}

}  // namespace firmus::score

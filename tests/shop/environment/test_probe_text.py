"""What a probe's file says, and what is told when it says nothing that can be believed.

Forms of the files: the kernel's documentation of hwmon, iio and 1-wire, from memory. The 85 C after
power-on: the sensor's data sheet, from memory; -127 C: common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.shop.environment.probe_text import MEASURED, ProbeFault, ProbeQuantity, probe_value

HWMON = "/sys/class/hwmon/hwmon2/temp1_input"
HWMON_RH = "/sys/class/hwmon/hwmon2/humidity1_input"
IIO = "/sys/bus/iio/devices/iio:device0/in_temp_input"
IIO_RH = "/sys/bus/iio/devices/iio:device0/in_humidityrelative_input"
SLAVE = "/sys/bus/w1/devices/28-00000512ab34/w1_slave"
SENSOR = "/sys/bus/w1/devices/28-00000512ab34/temperature"

GOOD = "51 01 4b 46 7f ff 0f 10 c4 : crc=c4 YES\n51 01 4b 46 7f ff 0f 10 c4 t=21062\n"


def slave(verdict: str, milli_c: int) -> str:
    data = "51 01 4b 46 7f ff 0f 10 c4"
    return f"{data} : crc=c4 {verdict}\n{data} t={milli_c}\n"


@pytest.mark.parametrize(
    ("text", "path", "what", "value"),
    [
        ("21062\n", HWMON, "air", 21.062),
        ("-1500\n", HWMON, "metal", -1.5),
        ("0\n", HWMON, "metal", 0.0),
        ("55300\n", HWMON_RH, "humidity", 55.3),
        ("18750\n", IIO, "air", 18.75),
        ("64000\n", IIO_RH, "humidity", 64.0),
        (GOOD, SLAVE, "metal", 21.062),
        (slave("YES", -4187), SLAVE, "metal", -4.187),
        ("21062\n", SENSOR, "metal", 21.062),
        ("21.5", "/run/shop/metal", "metal", 21.5),
        ("21,5 C\n", "/run/shop/metal", "metal", 21.5),
        ("21.5\u00b0C", "/run/shop/metal", "metal", 21.5),
        ("-3", "/run/shop/air.txt", "air", -3.0),
        ("65 %", "/run/shop/rh", "humidity", 65.0),
        # Called temperature, but in no sensor's folder: a plain file in degrees.
        ("21", "/run/shop/temperature", "air", 21.0),
    ],
)
def test_a_probe_is_read_as_its_file_is_written(
    text: str, path: str, what: ProbeQuantity, value: float
) -> None:
    assert probe_value(text, path, what) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "path", "what", "told"),
    [
        ("", HWMON, "air", "the file is empty"),
        ("  \n", SENSOR, "metal", "the file is empty"),
        ("N/A", HWMON, "air", "not a number: N/A"),
        ("21.5", HWMON, "air", "not a number: 21.5"),
        ("nan", "/run/x", "air", "not a number: nan"),
        ("1e3", "/run/x", "air", "not a number: 1e3"),
        ("\x1b[2J", "/run/x", "air", "not a number:  [2J"),
        ("21 22", "/run/x", "air", "not a number: 21 22"),
        (slave("NO", 21062), SLAVE, "metal", "CRC not right"),
        (slave("YES", 85000), SLAVE, "metal", "85 C: it has not measured since"),
        (slave("YES", -127000), SLAVE, "metal", "-127 C: not connected"),
        ("85000", SENSOR, "metal", "85 C: it has not measured since"),
        ("-127000", SENSOR, "metal", "-127 C: not connected"),
        (
            "00 00 00 00 00 00 00 00 00 : crc=00 YES\n00 00 00 00 00 00 00 00 00 t=0\n",
            SLAVE,
            "metal",
            "not connected: every byte is 0",
        ),
        ("21062", SLAVE, "metal", "not a 1-wire reading"),
        ("51 01 : crc=c4 YES\n", SLAVE, "metal", "not a 1-wire reading"),
        ("72000", HWMON, "air", "72 C is outside -30 to 50 C"),
        ("85000", HWMON, "air", "85 C is outside -30 to 50 C"),
        ("-31", "/run/x", "metal", "-31 C is outside"),
        ("0", "/run/x", "humidity", "0 % is no humidity"),
        ("101", "/run/x", "humidity", "101 % is no humidity"),
        ("21062", HWMON, "humidity", "this file is a temperature"),
        (GOOD, SLAVE, "humidity", "this file is a temperature"),
        ("21 C", "/run/x", "humidity", "this file is a temperature"),
        ("55300", IIO_RH, "air", "this file is a humidity"),
        ("65 %", "/run/x", "metal", "this file is a humidity"),
        ("1234", "/sys/bus/iio/devices/iio:device0/in_temp_raw", "air", "raw counts: give the"),
        ("x" * 5000, "/etc/something", "air", "not a probe's file: too long"),
    ],
)
def test_what_cannot_be_believed_is_a_fault_in_words(
    text: str, path: str, what: ProbeQuantity, told: str
) -> None:
    found = probe_value(text, path, what)
    assert isinstance(found, ProbeFault)
    assert found.words.startswith(told)
    assert found.words.isprintable()


@given(
    st.text(max_size=300),
    st.sampled_from([HWMON, HWMON_RH, IIO, IIO_RH, SLAVE, SENSOR, "/run/x", "", "\0"]),
    st.sampled_from(MEASURED),
)
def test_whatever_a_file_holds_it_is_a_figure_in_range_or_a_fault(
    text: str, path: str, what: ProbeQuantity
) -> None:
    found = probe_value(text, path, what)
    if isinstance(found, ProbeFault):
        assert found.words.isprintable()
    elif what == "humidity":
        assert 0 < found <= 100
    else:
        assert -30 <= found <= 50

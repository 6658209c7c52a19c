"""Which currencies may a price be in? The codes of ISO 4217 that are in use as money, with plain names."""

from collections.abc import Mapping
from types import MappingProxyType

CURRENCIES: Mapping[str, str] = MappingProxyType(
    {
        line[:3]: line[4:]
        for line in """\
AED UAE dirham
AFN Afghani
ALL Albanian lek
AMD Armenian dram
AOA Angolan kwanza
ARS Argentine peso
AUD Australian dollar
AWG Aruban florin
AZN Azerbaijani manat
BAM Bosnian convertible mark
BBD Barbados dollar
BDT Bangladeshi taka
BHD Bahraini dinar
BIF Burundi franc
BMD Bermudian dollar
BND Brunei dollar
BOB Boliviano
BRL Brazilian real
BSD Bahamian dollar
BTN Bhutanese ngultrum
BWP Botswana pula
BYN Belarusian rouble
BZD Belize dollar
CAD Canadian dollar
CDF Congolese franc
CHF Swiss franc
CLP Chilean peso
CNY Chinese yuan
COP Colombian peso
CRC Costa Rican colon
CUP Cuban peso
CVE Cabo Verde escudo
CZK Czech koruna
DJF Djibouti franc
DKK Danish krone
DOP Dominican peso
DZD Algerian dinar
EGP Egyptian pound
ERN Eritrean nakfa
ETB Ethiopian birr
EUR Euro
FJD Fiji dollar
FKP Falkland Islands pound
GBP Pound sterling
GEL Georgian lari
GHS Ghanaian cedi
GIP Gibraltar pound
GMD Gambian dalasi
GNF Guinean franc
GTQ Guatemalan quetzal
GYD Guyana dollar
HKD Hong Kong dollar
HNL Honduran lempira
HTG Haitian gourde
HUF Hungarian forint
IDR Indonesian rupiah
ILS Israeli shekel
INR Indian rupee
IQD Iraqi dinar
IRR Iranian rial
ISK Icelandic króna
JMD Jamaican dollar
JOD Jordanian dinar
JPY Japanese yen
KES Kenyan shilling
KGS Kyrgyz som
KHR Cambodian riel
KMF Comorian franc
KPW North Korean won
KRW South Korean won
KWD Kuwaiti dinar
KYD Cayman Islands dollar
KZT Kazakh tenge
LAK Lao kip
LBP Lebanese pound
LKR Sri Lanka rupee
LRD Liberian dollar
LSL Lesotho loti
LYD Libyan dinar
MAD Moroccan dirham
MDL Moldovan leu
MGA Malagasy ariary
MKD Macedonian denar
MMK Myanmar kyat
MNT Mongolian tugrik
MOP Macanese pataca
MRU Mauritanian ouguiya
MUR Mauritius rupee
MVR Maldivian rufiyaa
MWK Malawi kwacha
MXN Mexican peso
MYR Malaysian ringgit
MZN Mozambique metical
NAD Namibia dollar
NGN Nigerian naira
NIO Nicaraguan cordoba
NOK Norwegian krone
NPR Nepalese rupee
NZD New Zealand dollar
OMR Omani rial
PAB Panamanian balboa
PEN Peruvian sol
PGK Papua New Guinean kina
PHP Philippine peso
PKR Pakistan rupee
PLN Polish zloty
PYG Paraguayan guarani
QAR Qatari riyal
RON Romanian leu
RSD Serbian dinar
RUB Russian rouble
RWF Rwanda franc
SAR Saudi riyal
SBD Solomon Islands dollar
SCR Seychelles rupee
SDG Sudanese pound
SEK Swedish krona
SGD Singapore dollar
SHP Saint Helena pound
SLE Sierra Leonean leone
SOS Somali shilling
SRD Surinamese dollar
SSP South Sudanese pound
STN São Tomé dobra
SYP Syrian pound
SZL Swazi lilangeni
THB Thai baht
TJS Tajik somoni
TMT Turkmen manat
TND Tunisian dinar
TOP Tongan paʻanga
TRY Turkish lira
TTD Trinidad and Tobago dollar
TWD New Taiwan dollar
TZS Tanzanian shilling
UAH Ukrainian hryvnia
UGX Uganda shilling
USD US dollar
UYU Uruguayan peso
UZS Uzbek sum
VES Venezuelan bolívar
VND Vietnamese dong
VUV Vanuatu vatu
WST Samoan tala
XAF Central African franc
XCD East Caribbean dollar
XCG Caribbean guilder
XOF West African franc
XPF Pacific franc
YER Yemeni rial
ZAR South African rand
ZMW Zambian kwacha
ZWG Zimbabwe gold""".splitlines()
    }
)
